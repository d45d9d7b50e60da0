"""What a person works out from a set of readings: the formulas, the steps in their order, and how far the instruments let a result stand from what is true."""
