"""Where officials and players are on the floor, and what that means for who can be seen.

frames -> sketch -> sight, spread, route -> measures; eyes stands beside them; homography brings a
click on a film's picture to the floor.
"""
