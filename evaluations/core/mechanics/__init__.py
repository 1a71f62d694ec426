"""From what was seen at a dead ball to whose duty it was.

Read the modules in this order: court, facts, code, number_signals, table, judging, switching,
reporting, coverage, rules, engine, counts, words. Values in, values out: a log of dead balls and a
mechanics code go in, findings come out.
"""
