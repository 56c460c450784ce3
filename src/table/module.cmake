# The tables as const arrays: a program of the build reads and checks every CSV file with the code that
# reads the user's tables at run time, so a bad row fails the build with its place.
file(GLOB table_csv CONFIGURE_DEPENDS ${CMAKE_SOURCE_DIR}/src/table/data/*.csv)
add_executable(table_embed src/table/table_embed_tool.c src/table/table_kinds.c
    src/table/table_read.c src/table/table_check.c src/table/table_word.c src/table/table_set.c
    src/table/table_thread.c src/table/table_joint.c src/table/table_material.c
    $<TARGET_OBJECTS:gudgeon_base> $<TARGET_OBJECTS:gudgeon_source> $<TARGET_OBJECTS:gudgeon_diag>
    $<TARGET_OBJECTS:gudgeon_tree> $<TARGET_OBJECTS:gudgeon_qty>)
target_include_directories(table_embed PRIVATE include src/table)
target_link_libraries(table_embed PRIVATE PkgConfig::YAML PkgConfig::NETTLE PkgConfig::UTF8PROC m)
set(table_paths)
foreach(csv IN LISTS table_csv)
    file(RELATIVE_PATH path ${CMAKE_SOURCE_DIR} ${csv})
    list(APPEND table_paths ${path})
endforeach()
add_custom_command(OUTPUT ${GUDGEON_GENERATED}/table_data.c
    COMMAND table_embed ${GUDGEON_GENERATED}/table_data.c ${table_paths}
    WORKING_DIRECTORY ${CMAKE_SOURCE_DIR}
    DEPENDS table_embed ${table_csv}
    VERBATIM)
target_sources(gudgeon_table PRIVATE ${GUDGEON_GENERATED}/table_data.c)
