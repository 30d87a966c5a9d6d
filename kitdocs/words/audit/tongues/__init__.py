"""Languages as the audit reads them: number words, nouns, small words, words of the bench."""
