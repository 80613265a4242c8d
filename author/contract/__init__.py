"""The contract with other tools: YAML to and from the document, and its JSON Schema.

A file is text that somebody may have typed by hand or sent from elsewhere: it is read
as YAML 1.2 core with every value's line and column kept, so that a remark about the
document can point into the file.
"""

from author.contract.procedure_file import LoadedProcedure, parse_procedure, read_procedure
from author.contract.yaml_writer import write_yaml

__all__ = ["LoadedProcedure", "parse_procedure", "read_procedure", "write_yaml"]
