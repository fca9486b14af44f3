"""What all pages and pictures share: fonts, paper sizes, colours, labels, files."""
