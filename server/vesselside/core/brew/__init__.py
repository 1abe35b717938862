"""The brew: recipes, their sheets, and a gyle planned against actual."""
