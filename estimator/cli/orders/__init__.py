"""Commands on quotes, batches, comparisons, counts."""
