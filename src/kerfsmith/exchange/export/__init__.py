"""What leaves the shop as a table: plan, cut list, rack, cut log and costs as CSV, XLSX and JSON.

    table.py      Column, Table: names with units, kinds, what each says
    tables.py     which tables there are, by name
    orders.py plans.py racks.py logs.py costs.py    each table's columns, and its rows from values
    write.py      as_csv(table), as_xlsx(table), as_json(table)
    schema.py     json_schema(name): the JSON Schema of a table's JSON document

Column names never change their meaning: a change of meaning is a new column. Lengths are in mm, to the
micrometre; days and moments in ISO 8601; money in the currency that stands beside it.
"""
