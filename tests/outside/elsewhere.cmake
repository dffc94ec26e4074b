# An SDK installed below another CMAKE_INSTALL_LIBDIR serves a module just as well, the command of that install looks where
# the module goes, and a JSON library of another version is refused before anything is compiled.
#
# Only what depends on the folder is made anew: the libraries are those of the build, which do not know where they stand.
#
# usage: cmake -DSOURCE=... -DBUILD=... -DFOLDER=... -DGENERATOR=... -DC_COMPILER=... -DCXX_COMPILER=... -P elsewhere.cmake
cmake_minimum_required(VERSION 3.25)
set(compilers -G ${GENERATOR} -DCMAKE_BUILD_TYPE=Release -DCMAKE_C_COMPILER=${C_COMPILER} -DCMAKE_CXX_COMPILER=${CXX_COMPILER})

function(run)
    execute_process(COMMAND ${ARGN} OUTPUT_VARIABLE said ERROR_VARIABLE said RESULT_VARIABLE status)
    if(NOT status EQUAL 0)
        list(JOIN ARGN " " words)
        message(FATAL_ERROR "${words}\nexit status ${status}\n${said}")
    endif()
endfunction()

function(expect_file file)
    if(NOT EXISTS ${file})
        message(FATAL_ERROR "there is no ${file}")
    endif()
endfunction()

file(REMOVE_RECURSE ${FOLDER})
run(${CMAKE_COMMAND} -S ${SOURCE} -B ${FOLDER}/tree ${compilers} -DCMAKE_INSTALL_LIBDIR=lib64
    -DAUMBRY_BUILD_TESTS=OFF -DAUMBRY_BUILD_BENCH=OFF -DAUMBRY_BUILD_GUI=OFF)
file(GLOB libraries ${BUILD}/sdk/*.a)
file(COPY ${libraries} DESTINATION ${FOLDER}/tree/sdk)
run(${CMAKE_COMMAND} --install ${FOLDER}/tree --prefix ${FOLDER}/stage --component sdk)
expect_file(${FOLDER}/stage/lib64/cmake/aumbry/aumbry-config.cmake)
if(EXISTS ${FOLDER}/stage/lib)
    message(FATAL_ERROR "something went to lib, not to lib64")
endif()

# The command finds its modules from the folder that it stands in.
file(STRINGS ${FOLDER}/tree/build.ninja looks REGEX "AUMBRY_PLUGIN_DIR_FROM_PROGRAM=")
if(NOT looks MATCHES "\\.\\./lib64/aumbry/plugins")
    message(FATAL_ERROR "the command does not look in ../lib64/aumbry/plugins: ${looks}")
endif()

file(WRITE ${FOLDER}/consumer/CMakeLists.txt
    "cmake_minimum_required(VERSION 3.25)\nproject(consumer LANGUAGES C CXX)\nfind_package(aumbry 0.1 REQUIRED)\n"
    "aumbry_add_plugin(reminder ${SOURCE}/tests/outside/reminder/reminder.c)\n")
run(${CMAKE_COMMAND} -S ${FOLDER}/consumer -B ${FOLDER}/made ${compilers} -Daumbry_DIR=${FOLDER}/stage/lib64/cmake/aumbry)
run(${CMAKE_COMMAND} --build ${FOLDER}/made)
run(${CMAKE_COMMAND} --install ${FOLDER}/made --prefix ${FOLDER}/prefix)
expect_file(${FOLDER}/prefix/lib64/aumbry/plugins/reminder.so)

# With another version every function that takes a JSON value was an undefined reference at the end of the build.
file(WRITE ${FOLDER}/json/nlohmann_jsonConfig.cmake "")
file(WRITE ${FOLDER}/json/nlohmann_jsonConfigVersion.cmake
    "set(PACKAGE_VERSION 3.11.99)\nset(PACKAGE_VERSION_COMPATIBLE TRUE)\n")
find_program(ninja ninja REQUIRED)
execute_process(
    COMMAND ${CMAKE_COMMAND} -S ${FOLDER}/consumer -B ${FOLDER}/refused ${compilers} -DCMAKE_MAKE_PROGRAM=${ninja}
        -Daumbry_DIR=${FOLDER}/stage/lib64/cmake/aumbry
        -Dnlohmann_json_DIR=${FOLDER}/json -DCMAKE_FIND_USE_CMAKE_SYSTEM_PATH=OFF -DCMAKE_FIND_USE_SYSTEM_ENVIRONMENT_PATH=OFF
    OUTPUT_VARIABLE said ERROR_VARIABLE said RESULT_VARIABLE status)
if(status EQUAL 0 OR NOT said MATCHES "\"nlohmann_json\"" OR NOT said MATCHES "3\\.11\\.99")
    message(FATAL_ERROR "another version of the JSON library is not refused by its number: ${status}\n${said}")
endif()
