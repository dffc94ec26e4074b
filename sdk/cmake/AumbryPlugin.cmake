# aumbry_add_plugin(NAME sources... LIBS libraries...): a module as a shared object.
#
# Only the entry symbol leaves it, so that modules built with other compilers or libraries do not disturb each other;
# undefined symbols are errors at link time, not when a maker opens a project.
set(AUMBRY_PLUGIN_VERSION_SCRIPT ${CMAKE_CURRENT_LIST_DIR}/plugin.map)

function(aumbry_add_plugin name)
    cmake_parse_arguments(arg "" "" "LIBS" ${ARGN})
    add_library(${name} MODULE ${arg_UNPARSED_ARGUMENTS})
    target_link_libraries(${name} PRIVATE aumbry::plugin ${arg_LIBS})
    set_target_properties(${name} PROPERTIES
        PREFIX ""
        POSITION_INDEPENDENT_CODE ON
        CXX_VISIBILITY_PRESET hidden
        C_VISIBILITY_PRESET hidden
        VISIBILITY_INLINES_HIDDEN ON
        LINK_DEPENDS ${AUMBRY_PLUGIN_VERSION_SCRIPT})
    target_link_options(${name} PRIVATE
        LINKER:--version-script=${AUMBRY_PLUGIN_VERSION_SCRIPT} LINKER:-z,defs LINKER:--exclude-libs,ALL)
    if(DEFINED AUMBRY_PLUGIN_OUTPUT_DIRECTORY)
        set_target_properties(${name} PROPERTIES LIBRARY_OUTPUT_DIRECTORY ${AUMBRY_PLUGIN_OUTPUT_DIRECTORY})
    endif()
    if(DEFINED AUMBRY_PLUGIN_DIR)
        install(TARGETS ${name} LIBRARY DESTINATION ${AUMBRY_PLUGIN_DIR} COMPONENT runtime)
    endif()
endfunction()
