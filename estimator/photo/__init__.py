"""From a photograph to outlines in mm: the sheet that gives scale, the leather, the blade."""
