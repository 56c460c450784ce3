# The built-in label sets as text in the library.
add_executable(embed_text_tool src/base/embed_text_tool.c)
file(GLOB label_sets CONFIGURE_DEPENDS templates/labels-*.yaml)
add_custom_command(OUTPUT ${GUDGEON_GENERATED}/label_sets.h
    COMMAND embed_text_tool label_sets labels- ${label_sets} > ${GUDGEON_GENERATED}/label_sets.h
    DEPENDS embed_text_tool ${label_sets} VERBATIM)
add_custom_target(gudgeon_label_sets DEPENDS ${GUDGEON_GENERATED}/label_sets.h)
add_dependencies(gudgeon_label gudgeon_label_sets)
