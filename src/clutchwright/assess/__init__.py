"""From the chain's response to what a rider wants to know: figures, budgets, checks, verdict."""
