# The weights of cost, as text in the library.
add_custom_command(OUTPUT ${GUDGEON_GENERATED}/cost_texts.h
    COMMAND embed_text_tool cost_texts "" ${CMAKE_SOURCE_DIR}/templates/cost.yaml
        > ${GUDGEON_GENERATED}/cost_texts.h
    DEPENDS embed_text_tool ${CMAKE_SOURCE_DIR}/templates/cost.yaml VERBATIM)
add_custom_target(gudgeon_cost_texts DEPENDS ${GUDGEON_GENERATED}/cost_texts.h)
add_dependencies(gudgeon_plan gudgeon_cost_texts)
