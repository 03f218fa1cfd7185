"""Findings and catalogue to what may make a joint: matched, ranked, made up, each refusal with its reasons."""
