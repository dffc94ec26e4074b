# Registers each suite of a GoogleTest program as one test of ctest: a process a suite, not one a test, of which there are
# many hundreds that take no time. A failure still names its test; `ctest -R SUITE` runs a suite, and the program itself
# runs one test: build/release/tests/PROGRAM --gtest_filter=SUITE.TEST
#
# usage: cmake -DPROGRAM=... -DFOLDER=... -DTIMEOUT=... -DCOST=... -DINTO=... -P register_suites.cmake
execute_process(COMMAND ${PROGRAM} --gtest_list_tests WORKING_DIRECTORY ${FOLDER}
    OUTPUT_VARIABLE listed RESULT_VARIABLE status TIMEOUT 60)
if(NOT status EQUAL 0)
    message(FATAL_ERROR "${PROGRAM} does not list its tests: ${status}")
endif()
# "Suite.", or "Suite.  # TypeParam = int"; its tests are set in.
string(REGEX MATCHALL "(^|\n)[^ \n][^ \n]*\\.[^\n]*" suites "${listed}")
set(script "")
foreach(suite ${suites})
    string(REGEX REPLACE "^\n?([^ ]+)\\..*" "\\1" suite "${suite}")
    string(APPEND script
        "add_test([==[${suite}]==] [==[${PROGRAM}]==] [==[--gtest_filter=${suite}.*]==] --gtest_brief=1)\n"
        "set_tests_properties([==[${suite}]==] PROPERTIES WORKING_DIRECTORY [==[${FOLDER}]==] TIMEOUT ${TIMEOUT} COST ${COST})\n")
endforeach()
if(script STREQUAL "")
    message(FATAL_ERROR "${PROGRAM} has no tests")
endif()
file(WRITE ${INTO} "${script}")
