"""The shop's library: a folder of procedure folders, and an index that is made from it.

The files are the truth; the index can be deleted at any time.
"""
