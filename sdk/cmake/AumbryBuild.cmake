# How this tree itself is built; nothing of it is installed.
#
# Most of the time of a build went into reading and instantiating the same few library headers in every source. They are
# read once, in precompiled headers; the sources of a target are compiled several at once; and code that runs once a
# document (documents, views, adapters, the window, tests) is optimised less than engines that search. DEVELOPERS.md says
# what that costs and saves.

option(AUMBRY_JOIN_SOURCES "Compile the sources of a target several at once: quick from nothing, slower after an edit" ON)

# GCC collects its own garbage every few megabytes; joined sources need some hundreds anyway.
if(CMAKE_CXX_COMPILER_ID STREQUAL "GNU" AND AUMBRY_JOIN_SOURCES)
    add_compile_options("SHELL:--param ggc-min-heapsize=800000")
endif()

# aumbry_join(TARGET [count]): up to so many sources of the target are compiled as one. Names of one file that hide those
# of another mean nothing there; a build of single sources warns of the rest.
function(aumbry_join target)
    if(NOT AUMBRY_JOIN_SOURCES)
        return()
    endif()
    set(count 50)
    if(ARGC GREATER 1)
        set(count ${ARGV1})
    endif()
    set_target_properties(${target} PROPERTIES UNITY_BUILD ON UNITY_BUILD_BATCH_SIZE ${count})
    target_compile_options(${target} PRIVATE $<$<COMPILE_LANGUAGE:CXX>:-Wno-shadow>)
endfunction()

# aumbry_optimise(TARGET search|plain): how hard the compiler works for a target in a release build, with the precompiled
# headers that go with it.
function(aumbry_optimise target kind)
    if(kind STREQUAL "plain")
        target_compile_options(${target} PRIVATE $<$<AND:$<CONFIG:Release>,$<COMPILE_LANGUAGE:CXX>>:-Og>)
    elseif(kind STREQUAL "search")
        # A search is of no use unoptimised, and its tests would take minutes.
        target_compile_options(${target} PRIVATE $<$<AND:$<CONFIG:Debug>,$<COMPILE_LANGUAGE:CXX>>:-O2>)
    else()
        message(FATAL_ERROR "aumbry_optimise(${target} ${kind}): search or plain")
    endif()
    target_link_libraries(${target} PRIVATE fmt::fmt) # its definitions are part of what is precompiled
    target_precompile_headers(${target} REUSE_FROM aumbry_precompiled_${kind})
    aumbry_join(${target})
endfunction()

foreach(kind search plain)
    add_library(aumbry_precompiled_${kind} STATIC ${CMAKE_CURRENT_LIST_DIR}/precompiled.cpp)
    target_link_libraries(aumbry_precompiled_${kind} PRIVATE nlohmann_json::nlohmann_json fmt::fmt)
    target_include_directories(aumbry_precompiled_${kind} PRIVATE ${CMAKE_CURRENT_LIST_DIR}/../include)
    target_precompile_headers(aumbry_precompiled_${kind} PRIVATE ${CMAKE_CURRENT_LIST_DIR}/precompiled_${kind}.hpp)
endforeach()
target_compile_options(aumbry_precompiled_plain PRIVATE $<$<CONFIG:Release>:-Og>)
target_compile_options(aumbry_precompiled_search PRIVATE $<$<CONFIG:Debug>:-O2>)
