"""What a lesson works out by hand: formulas, published tyres, quarter car, braking rules."""
