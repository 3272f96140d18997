"""What all files of ours in TOML share: keys with range and advice, reading, writing, asking, explaining."""
