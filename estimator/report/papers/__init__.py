"""Papers as PDF: quote, cost sheet, job sheet, cutting plan, what to buy."""
