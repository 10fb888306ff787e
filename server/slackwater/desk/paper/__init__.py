"""What stands on paper and in files? One module a document; facts from a case and its edition."""
