"""The doors: who may come in. Accounts, sign-ins, one-time codes and keys for programs.

Secrets are kept as digests alone, passwords as argon2id hashes; nothing here speaks HTTP.
"""
