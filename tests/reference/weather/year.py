"""Writes year.csv: a typical year of hourly weather, from the data that the Python package pvlib 0.16.1 carries
(pvlib/data/723170TYA.CSV: Greensboro, North Carolina, typical meteorological year of the US National Renewable Energy
Laboratory, TMY3; the package is under the BSD 3-clause licence, the data are free of rights as work of the US
government).

    python year.py PATH/TO/723170TYA.CSV > year.csv

The months of a typical year come from different years; all are written as 2001. Hour 24:00 is 00:00 of the next day.
Times carry the station's offset, so no zone and no change of clocks plays a part.
"""

import csv
import datetime
import sys

rows = list(csv.reader(open(sys.argv[1], newline="")))
names = rows[1]
column = {name: names.index(name) for name in ("Date (MM/DD/YYYY)", "Time (HH:MM)", "Dry-bulb (C)", "RHum (%)", "Wspd (m/s)")}
offset = int(float(rows[0][3]))
print("# Typical year of Greensboro, North Carolina (TMY3), as carried by pvlib 0.16.1; written by year.py")
print("time,temperature (C),humidity (%),wind (m/s)")
for row in rows[2:]:
    month, day, _ = map(int, row[column["Date (MM/DD/YYYY)"]].split("/"))
    hour = int(row[column["Time (HH:MM)"]].split(":")[0])
    at = datetime.datetime(2001, month, day) + datetime.timedelta(hours=hour)
    values = (row[column[name]] for name in ("Dry-bulb (C)", "RHum (%)", "Wspd (m/s)"))
    print(f"{at:%Y-%m-%dT%H:%M}{offset:+03d}:00," + ",".join(values))
