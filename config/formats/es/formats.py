"""Short days and hours in the letters' own way of writing a day."""

SHORT_DATE_FORMAT = r"j \d\e F \d\e Y"
SHORT_DATETIME_FORMAT = r"D j \d\e F \d\e Y \a \l\a\s H:i"
