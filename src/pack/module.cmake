# The built-in template and starters, as text in the library.
file(GLOB layouts CONFIGURE_DEPENDS templates/pack.yaml)
file(GLOB starters CONFIGURE_DEPENDS templates/starter-*.yaml)
add_custom_command(OUTPUT ${GUDGEON_GENERATED}/templates.h
    COMMAND embed_text_tool templates "" ${layouts} > ${GUDGEON_GENERATED}/templates.h
    DEPENDS embed_text_tool ${layouts} VERBATIM)
add_custom_command(OUTPUT ${GUDGEON_GENERATED}/starters.h
    COMMAND embed_text_tool starters starter- ${starters} > ${GUDGEON_GENERATED}/starters.h
    DEPENDS embed_text_tool ${starters} VERBATIM)
add_custom_target(gudgeon_texts
    DEPENDS ${GUDGEON_GENERATED}/templates.h ${GUDGEON_GENERATED}/starters.h)
if(TARGET gudgeon_pack)
    add_dependencies(gudgeon_pack gudgeon_texts)
endif()
