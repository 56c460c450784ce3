target_include_directories(gudgeon_write PRIVATE ${HPDF_INCLUDE})

# The shipped fonts as C arrays: widths and bytes for this module, coverage for src/pack, so that a
# letter that the fonts lack is reported at its place.
add_executable(gudgeon_font_tool src/write/font_tool.c)
set(GUDGEON_FONTS ${CMAKE_SOURCE_DIR}/src/write/fonts/DejaVuSans.ttf
    ${CMAKE_SOURCE_DIR}/src/write/fonts/DejaVuSans-Bold.ttf)
set(GUDGEON_FONT_ARRAYS ${GUDGEON_GENERATED}/font_coverage.h ${GUDGEON_GENERATED}/font_advances.h
    ${GUDGEON_GENERATED}/font_bytes.h)
add_custom_command(OUTPUT ${GUDGEON_FONT_ARRAYS}
    COMMAND gudgeon_font_tool ${GUDGEON_FONTS} ${GUDGEON_GENERATED}
    DEPENDS gudgeon_font_tool ${GUDGEON_FONTS})
add_custom_target(gudgeon_fonts DEPENDS ${GUDGEON_FONT_ARRAYS})
add_dependencies(gudgeon_write gudgeon_fonts)
if(TARGET gudgeon_pack)
    add_dependencies(gudgeon_pack gudgeon_fonts)
endif()

# Named in the manifest beside those that tell their version themselves.
target_compile_definitions(gudgeon_write PRIVATE GUDGEON_YAML_VERSION="${YAML_VERSION}"
    GUDGEON_NETTLE_VERSION="${NETTLE_VERSION}")
