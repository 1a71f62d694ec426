"""What Crewmark computes, as plain values: no Django, no clock, no chance, no input or output.

Read the modules in the order of the work: rubric, games, printing, mechanics, floor, floor_rules,
counting, ratings, floor_evidence, scoring, next_steps, release, season, letter, letter_log,
letter_evidence, letter_form, letter_floor, letter_text, documents. Each imports only those before
it; the layers in pyproject.toml hold all of them to that.
"""
