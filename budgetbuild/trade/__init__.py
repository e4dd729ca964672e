"""The trade rules as pure functions: loads, amplifiers, signal, power, cable, fit, treatment, score, money."""
