target_include_directories(gudgeon_outline PRIVATE ${GEOS_INCLUDE})
