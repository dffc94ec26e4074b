// A library needs a source; what matters are the precompiled headers: AumbryBuild.cmake.
