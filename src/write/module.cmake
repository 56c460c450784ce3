target_include_directories(gudgeon_write PRIVATE ${HPDF_INCLUDE})
