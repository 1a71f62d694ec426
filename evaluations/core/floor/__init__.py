"""Where officials and players are on the floor, and what that means for who can be seen.

frames -> sketch -> sight, spread, route -> measures; eyes stands beside them.
"""
