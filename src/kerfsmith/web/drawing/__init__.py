"""Pictures as SVG text: sections, bars and charts, drawn on the server and readable without script."""
