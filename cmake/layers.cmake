# What every target of the house has in common, and how a layer is declared.

add_library(armwise_options INTERFACE)
target_compile_options(armwise_options INTERFACE -Wall -Wextra -Wpedantic -Wshadow -Wconversion
                                                 -Wnon-virtual-dtor -Woverloaded-virtual -Werror)
# g++ 12 takes the coroutine frame allocator of Boost.Asio for a mismatched pair of new and delete.
target_compile_options(armwise_options INTERFACE $<$<CXX_COMPILER_ID:GNU>:-Wno-mismatched-new-delete>)
# Release only, -O3: g++ 12 sees an overlap in `"text" + std::string` where there is none (GCC bug 105651).
target_compile_options(armwise_options INTERFACE $<$<AND:$<CXX_COMPILER_ID:GNU>,$<CONFIG:Release>>:-Wno-restrict>)
target_compile_definitions(armwise_options INTERFACE BOOST_ASIO_SEPARATE_COMPILATION
                                                     BOOST_ASIO_NO_DEPRECATED)
if(ARMWISE_SANITIZE)
  target_compile_options(armwise_options INTERFACE -fsanitize=${ARMWISE_SANITIZE} -fno-omit-frame-pointer
                                                   -fno-sanitize-recover=all)
  target_link_options(armwise_options INTERFACE -fsanitize=${ARMWISE_SANITIZE})
  if(CMAKE_CXX_COMPILER_ID STREQUAL "GNU")
    # Instrumented code is more than its data-flow warnings follow: g++ 12 takes a variant for uninitialised.
    target_compile_options(armwise_options INTERFACE -Wno-maybe-uninitialized)
  endif()
endif()
if(ARMWISE_SANITIZE MATCHES "undefined")
  # clang 14 copies what this check puts before a coroutine to its parts, which then cannot be assembled.
  target_compile_options(armwise_options INTERFACE $<$<CXX_COMPILER_ID:Clang>:-fno-sanitize=function>)
endif()
if(ARMWISE_FUZZERS)
  # Every layer tells the fuzzer which way was taken; only the fuzzers themselves bring its main.
  target_compile_options(armwise_options INTERFACE -fsanitize=fuzzer-no-link)
endif()
if(ARMWISE_SANITIZE STREQUAL "thread")
  # Boost.Asio's fences, which the sanitizer of g++ does not follow; the program has one thread anyway.
  target_compile_options(armwise_options INTERFACE $<$<CXX_COMPILER_ID:GNU>:-Wno-tsan>)
endif()

# armwise_layer(NAME USES targets...): the library armwise_NAME out of src/NAME, with the public headers of
# include/armwise/NAME.
function(armwise_layer name)
  cmake_parse_arguments(layer "" "" "USES" ${ARGN})
  file(GLOB sources CONFIGURE_DEPENDS ${PROJECT_SOURCE_DIR}/src/${name}/*.cpp)
  if(sources)
    add_library(armwise_${name} STATIC ${sources})
    target_include_directories(armwise_${name} PUBLIC ${PROJECT_SOURCE_DIR}/include)
    target_link_libraries(armwise_${name} PUBLIC ${layer_USES} PRIVATE armwise_options)
    # Asio's declarations must be compiled alike wherever they are seen.
    target_compile_definitions(armwise_${name} PUBLIC BOOST_ASIO_SEPARATE_COMPILATION
                                                      BOOST_ASIO_NO_DEPRECATED)
  else()
    add_library(armwise_${name} INTERFACE)
    target_include_directories(armwise_${name} INTERFACE ${PROJECT_SOURCE_DIR}/include)
    target_link_libraries(armwise_${name} INTERFACE ${layer_USES})
  endif()
endfunction()
