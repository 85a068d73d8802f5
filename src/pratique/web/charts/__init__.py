"""Pictures made on the server: charts, feeding strips and day cells, as SVG and plain rows. No husbandry here."""
