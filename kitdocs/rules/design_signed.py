"""design-signed: a release is of the model that was signed. Kept by the survey of a release."""

from kitdocs.kit.signing import RULE
from kitdocs.rules.rule import Rule

DESIGN_SIGNED = Rule(
    RULE,
    "Record",
    "a release is of the model whose digest was signed; a preview of another says DRAFT",
    "SHA-256 over the facts of the kit = the digest in `signed`",
    "our own",
    "a tooth count changed after the design was signed (check --release)",
)
