"""From an assessment to what people and programs read: terminal, page, JSON."""
