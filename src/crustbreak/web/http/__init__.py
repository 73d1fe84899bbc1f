"""What both apps share of HTTP: guards, headers, forms, pages."""
