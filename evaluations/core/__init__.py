"""What Crewmark computes, as plain values: no Django, no clock, no chance, no input or output.

Read the modules in the order of the work: rubric, games, ratings, scoring, next_steps, release,
letter, season. Each imports only those before it.
"""
