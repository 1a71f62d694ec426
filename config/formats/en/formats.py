"""Short days and hours in the letters' own way of writing a day; figures alone read differently
on either side of an ocean.
"""

SHORT_DATE_FORMAT = "N j, Y"
SHORT_DATETIME_FORMAT = "D N j, Y, P"
