"""The manual: pages in Markdown, shown inside the application and written out as a site of their own."""
