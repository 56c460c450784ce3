# What the columns of a parts list may be called, as text in the library.
add_custom_command(OUTPUT ${GUDGEON_GENERATED}/headings.h
    COMMAND embed_text_tool heading_lists "" ${CMAKE_SOURCE_DIR}/templates/headings.yaml > ${GUDGEON_GENERATED}/headings.h
    DEPENDS embed_text_tool ${CMAKE_SOURCE_DIR}/templates/headings.yaml VERBATIM)
add_custom_target(gudgeon_headings DEPENDS ${GUDGEON_GENERATED}/headings.h)
add_dependencies(gudgeon_spec gudgeon_headings)
