"""House rules with their examples: on joints, and on splices that are proposed or were made."""

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

#: The same, wherever it is.
LEVERS = """ruleset: our-firm
about: How we work.
amends: every-code
rules:
  - id: no-push-ins
    when: always
    bar: {method: push-in}
    says: We use levers.
    source: common-practice
    examples: {fires: [{}]}
"""


def of_checks(
    effect: str = "defect: {said: {reused: true}, methods: [lever]}",
    fires: str = "proposal: {method: lever, reused: true}",
    silent: str = "proposal: {method: lever, reused: false}",
) -> str:
    """Give a rule that speaks of splices alone."""
    return f"""ruleset: our-firm
about: House checks.
amends: every-code
rules:
  - id: no-reused-levers
    when: always
    {effect}
    says: We use no lever twice.
    source: common-practice
    examples: {{fires: [{{{fires}}}], silent: [{{{silent}}}]}}
"""
