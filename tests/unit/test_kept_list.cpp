// Lists and texts that keep the memory of what is taken out.
#include <doctest/doctest.h>

#include <string>

#include "seamwright/joint.hpp"
#include "seamwright/kept_list.hpp"

using namespace seamwright;

TEST_CASE("a kept list holds what was added, and hands out the memory of what was taken out") {
  KeptList<std::string> list;
  CHECK(list.empty());
  for (const char* word : {"keel", "frame", "stringer that is longer than any short string"}) list.add() = word;
  CHECK(list.size() == 3);
  CHECK(list.front() == "keel");
  CHECK(list.back().size() > 20);

  const char* const memory = list.back().data();
  list.remove(1);
  CHECK(list.size() == 2);
  CHECK(list[1].data() == memory);
  list.clear();
  CHECK(list.empty());
  CHECK(list.begin() == list.end());
  list.resize(2);
  CHECK(list[1].data() == memory);

  KeptList<std::string> other = std::move(list);
  CHECK(list.empty());  // NOLINT(bugprone-use-after-move): that it is empty is what is asked
  CHECK(other.size() == 2);
}

TEST_CASE("a text that may be missing keeps its memory") {
  MaybeText text, none;
  CHECK_FALSE(text.has_value());
  text = std::string_view("a name that is longer than any short string");
  const char* const memory = text->data();
  text = none;
  CHECK_FALSE(text.has_value());
  text = std::string_view("another, a little shorter name");
  CHECK(text.has_value());
  CHECK(text->data() == memory);
  CHECK(*text == "another, a little shorter name");

  const MaybeText moved = std::move(text);
  CHECK(moved.has_value());
  CHECK_FALSE(text.has_value());  // NOLINT(bugprone-use-after-move)
}
