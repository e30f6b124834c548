"""What is known of a house: YAML with positions, strict models, open assumptions. Light imports: pydantic and yaml only."""
