/* embed_text_tool.c - a program of the build: text files as one C array of names and texts.
 *
 * embed_text_tool ARRAY PREFIX FILE... > header; the name of a text is its file's name without folder,
 * the prefix and its ending. */
#include <stdio.h>
#include <string.h>

static void print_text(FILE *in)
{
    int c, column = 0;

    fputs("\n     \"", stdout);
    while ((c = getc(in)) != EOF) {
        if (c == '\n') {
            fputs("\\n\"\n     \"", stdout);
            column = 0;
        } else if (c == '"' || c == '\\' || c == '?') {
            printf("\\%c", c);
        } else if (c < 32 || c > 126) {
            printf("\\%03o", (unsigned)c & 0xff);
        } else {
            putchar(c);
        }
        if (++column > 4000) { /* well under what a compiler must take */
            fputs("\"\n     \"", stdout);
            column = 0;
        }
    }
    fputs("\"", stdout);
}

int main(int argc, char **argv)
{
    if (argc < 3)
        return 2;
    printf("/* made by the build */\nstatic const struct {\n    const char *kind, *text;\n} %s[] = {\n",
           argv[1]);
    for (int i = 3; i < argc; i++) {
        const char *name = strrchr(argv[i], '/') ? strrchr(argv[i], '/') + 1 : argv[i];
        FILE *in = fopen(argv[i], "rb");
        if (!in) {
            perror(argv[i]);
            return 1;
        }
        size_t skip = strncmp(name, argv[2], strlen(argv[2])) == 0 ? strlen(argv[2]) : 0;
        printf("    {\"%.*s\",", (int)(strcspn(name, ".") - skip), name + skip);
        print_text(in);
        puts("},");
        fclose(in);
    }
    printf("};\n");
    return 0;
}
