"""What the tool stands on: locked versions, their licences, and what advisories say of them."""
