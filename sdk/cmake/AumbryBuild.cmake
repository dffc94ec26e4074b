# How this tree itself is built; nothing of it is installed.
#
# Most of the time of a build went into reading and instantiating the same few library headers in every source. They are
# read once, in precompiled headers; and code that runs once a document (documents, views, adapters, the window, tests) is
# optimised less than engines that search: DEVELOPERS.md says what that costs and saves.

# aumbry_optimise(TARGET search|plain): how hard the compiler works for a target in a release build, with the precompiled
# headers that go with it.
function(aumbry_optimise target kind)
    if(kind STREQUAL "plain")
        target_compile_options(${target} PRIVATE $<$<AND:$<CONFIG:Release>,$<COMPILE_LANGUAGE:CXX>>:-O1>)
    elseif(kind STREQUAL "search")
        # A search is of no use unoptimised, and its tests would take minutes.
        target_compile_options(${target} PRIVATE $<$<AND:$<CONFIG:Debug>,$<COMPILE_LANGUAGE:CXX>>:-O2>)
    else()
        message(FATAL_ERROR "aumbry_optimise(${target} ${kind}): search or plain")
    endif()
    target_link_libraries(${target} PRIVATE fmt::fmt) # its definitions are part of what is precompiled
    target_precompile_headers(${target} REUSE_FROM aumbry_precompiled_${kind})
endfunction()

foreach(kind search plain)
    add_library(aumbry_precompiled_${kind} STATIC ${CMAKE_CURRENT_LIST_DIR}/precompiled.cpp)
    target_link_libraries(aumbry_precompiled_${kind} PRIVATE nlohmann_json::nlohmann_json fmt::fmt)
    target_precompile_headers(aumbry_precompiled_${kind} PRIVATE ${CMAKE_CURRENT_LIST_DIR}/precompiled.hpp)
endforeach()
target_compile_options(aumbry_precompiled_plain PRIVATE $<$<CONFIG:Release>:-O1>)
target_compile_options(aumbry_precompiled_search PRIVATE $<$<CONFIG:Debug>:-O2>)
