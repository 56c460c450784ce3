# Files of text as arrays of the program that is built: layouts, label sets, weights, starters.
add_executable(embed_text_tool src/base/embed_text_tool.c)
