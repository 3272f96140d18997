"""The workbench: one page per question, in the browser, offline, and on the phone beside the bike."""
