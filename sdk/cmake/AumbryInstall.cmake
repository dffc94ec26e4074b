# What `cmake --install` puts where. Component `sdk`: what it takes to build a module or a program on the libraries.
# Component `runtime`: the command, modules, catalogs.
include(CMakePackageConfigHelpers)

set(AUMBRY_PACKAGE_DIR ${CMAKE_INSTALL_LIBDIR}/cmake/aumbry)
set(AUMBRY_SCHEMA_DIR ${CMAKE_INSTALL_DATADIR}/aumbry/schemas)

# A COMPONENT written after FILE_SET would apply to the headers alone, so each part names its own.
install(TARGETS aumbry_plugin aumbry_estimator EXPORT aumbry-targets
    ARCHIVE DESTINATION ${CMAKE_INSTALL_LIBDIR} COMPONENT sdk
    FILE_SET HEADERS DESTINATION ${CMAKE_INSTALL_INCLUDEDIR} COMPONENT sdk)
install(EXPORT aumbry-targets NAMESPACE aumbry:: DESTINATION ${AUMBRY_PACKAGE_DIR} COMPONENT sdk)

configure_package_config_file(${CMAKE_CURRENT_LIST_DIR}/aumbry-config.cmake.in
    ${CMAKE_CURRENT_BINARY_DIR}/aumbry-config.cmake
    INSTALL_DESTINATION ${AUMBRY_PACKAGE_DIR} PATH_VARS AUMBRY_SCHEMA_DIR)
write_basic_package_version_file(${CMAKE_CURRENT_BINARY_DIR}/aumbry-config-version.cmake COMPATIBILITY SameMajorVersion)
install(FILES
    ${CMAKE_CURRENT_BINARY_DIR}/aumbry-config.cmake
    ${CMAKE_CURRENT_BINARY_DIR}/aumbry-config-version.cmake
    ${CMAKE_CURRENT_LIST_DIR}/AumbryPlugin.cmake
    ${CMAKE_CURRENT_LIST_DIR}/plugin.map
    DESTINATION ${AUMBRY_PACKAGE_DIR} COMPONENT sdk)
install(DIRECTORY ${PROJECT_SOURCE_DIR}/sdk/schemas/ DESTINATION ${AUMBRY_SCHEMA_DIR} COMPONENT sdk
    FILES_MATCHING PATTERN "*.schema.json")

# Modules install themselves (aumbry_add_plugin); the command does where it is built.
install(DIRECTORY ${PROJECT_SOURCE_DIR}/catalogs/ DESTINATION ${CMAKE_INSTALL_DATADIR}/aumbry/catalogs COMPONENT runtime)
