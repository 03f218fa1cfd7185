"""A house rule with its examples: no push-ins in kitchens."""

FIRM = """ruleset: our-firm
about: How we work.
amends: every-code
rules:
  - id: no-push-ins-in-kitchens
    when: [{joint: {tags: {includes: kitchen}}}]
    bar: {method: push-in}
    says: Kitchens are loaded hard; we use a lever there.
    source: common-practice
    examples: {fires: [{joint: {tags: [kitchen]}}], silent: [{}]}
"""
