# What is installed serves another program: found by CMake and by pkg-config, moved elsewhere, each header by itself.
# It must say of a joint what the program says.
#
# cmake -DBUILD=... -DEXAMPLES=... -DCOMPILER=... -DGENERATOR=... -DSCRATCH=... -P check_library.cmake
set(consumer ${CMAKE_CURRENT_LIST_DIR})

# Runs a command; what it prints goes into `said`.
function(run)
  execute_process(COMMAND ${ARGV} RESULT_VARIABLE code OUTPUT_VARIABLE out ERROR_VARIABLE err)
  if(NOT code EQUAL 0)
    message(FATAL_ERROR "${ARGV}\nended with ${code}:\n${out}${err}")
  endif()
  set(said "${out}" PARENT_SCOPE)
endfunction()

file(REMOVE_RECURSE ${SCRATCH})
run(${CMAKE_COMMAND} --install ${BUILD} --prefix ${SCRATCH}/first --component development)
run(${CMAKE_COMMAND} --install ${BUILD} --prefix ${SCRATCH}/first --component program)
file(RENAME ${SCRATCH}/first ${SCRATCH}/prefix)  # nothing may name the place it was put at
file(GLOB_RECURSE texts ${SCRATCH}/prefix/lib*/*.cmake ${SCRATCH}/prefix/lib*/*.pc)
list(LENGTH texts count)
if(count LESS 4)
  message(FATAL_ERROR "only ${count} files for CMake and pkg-config: ${texts}")
endif()

# What the program says of each pass of the joint.
set(joint ${EXAMPLES}/cradle-beam.toml)
file(WRITE ${SCRATCH}/jobs.csv "id\nsplice\n")
run(${SCRATCH}/prefix/bin/seamwright batch ${SCRATCH}/jobs.csv --defaults ${joint} --per-pass --no-header
  --columns wire_feed,travel)
string(REPLACE "\r" "" expected "${said}")
if(NOT expected MATCHES "^[0-9.]+,[0-9.]+\n[0-9.]+,[0-9.]+\n")
  message(FATAL_ERROR "the program says of several passes: ${said}")
endif()
function(expect_answer how program)
  run(${program} ${joint})
  if(NOT said STREQUAL expected)
    message(FATAL_ERROR "${how}: the consumer says\n${said}and the program\n${expected}")
  endif()
  message("${how}: ${said}")
endfunction()

run(${CMAKE_COMMAND} -G ${GENERATOR} -S ${consumer} -B ${SCRATCH}/by-cmake -DCMAKE_PREFIX_PATH=${SCRATCH}/prefix
  -DCMAKE_CXX_COMPILER=${COMPILER} -DCMAKE_BUILD_TYPE=Release)
run(${CMAKE_COMMAND} --build ${SCRATCH}/by-cmake)
expect_answer(find_package ${SCRATCH}/by-cmake/plan_joint)

# Every header by itself is enough.
file(GLOB headers RELATIVE ${SCRATCH}/prefix/include ${SCRATCH}/prefix/include/seamwright/*.hpp)
foreach(header IN LISTS headers)
  file(APPEND ${SCRATCH}/headers.cpp "#include <${header}>\n")
endforeach()
run(${COMPILER} -std=c++20 -Wall -Wextra -Werror -fsyntax-only -I${SCRATCH}/prefix/include ${SCRATCH}/headers.cpp)

find_program(PKG_CONFIG NAMES pkg-config pkgconf)
if(NOT PKG_CONFIG)
  message("left out: pkg-config is not here")
  return()
endif()
file(GLOB_RECURSE pc ${SCRATCH}/prefix/lib*/seamwright.pc)
cmake_path(GET pc PARENT_PATH pc_folder)
set(ENV{PKG_CONFIG_PATH} ${pc_folder})
run(${PKG_CONFIG} --cflags --libs seamwright)
string(STRIP "${said}" flags)
separate_arguments(flags UNIX_COMMAND "${flags}")
run(${COMPILER} -std=c++20 ${consumer}/plan_joint.cpp ${flags} -o ${SCRATCH}/by-pkg-config)
expect_answer(pkg-config ${SCRATCH}/by-pkg-config)
run(${PKG_CONFIG} --modversion seamwright)
run(${SCRATCH}/prefix/bin/seamwright --version)
file(REMOVE_RECURSE ${SCRATCH})
