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

TEST_CASE("lists and texts given to themselves stay as they are") {
  KeptList<std::string> list;
  for (const char* word : {"keel", "frame", "stringer"}) list.add() = word;
  KeptList<std::string>& same = list;
  list = std::move(same);
  REQUIRE(list.size() == 3);
  CHECK(list[2] == "stringer");
  list = same;
  REQUIRE(list.size() == 3);
  CHECK(list[0] == "keel");

  MaybeText text;
  text = std::string_view("a name that is longer than any short string");
  MaybeText& same_text = text;
  text = std::move(same_text);
  REQUIRE(text.has_value());
  CHECK(*text == "a name that is longer than any short string");
  text = same_text;
  CHECK(*text == "a name that is longer than any short string");
}

namespace {

// Counts the copies made of it.
struct Counted {
  Counted() = default;
  Counted(const Counted& other) : copies(other.copies) { ++*copies; }
  Counted(Counted&&) = default;
  Counted& operator=(const Counted& other) {
    copies = other.copies;
    ++*copies;
    return *this;
  }
  Counted& operator=(Counted&&) = default;
  ~Counted() = default;
  int* copies = nullptr;
};

}  // namespace

TEST_CASE("a copy of a kept list is of its elements, not of what was taken out") {
  int copies = 0;
  KeptList<Counted> list;
  list.resize(100);
  for (Counted& c : list) c.copies = &copies;
  list.resize(2);
  const KeptList<Counted> copy = list;
  CHECK(copy.size() == 2);
  CHECK(copies == 2);
  KeptList<Counted> other;
  other.resize(5);
  other = list;
  CHECK(other.size() == 2);
  CHECK(copies == 4);

  KeptList<std::string> texts, more;
  texts.add() = "keel";
  more.resize(3);
  more[0] = "a name that is longer than any short string";
  const char* const memory = more[0].data();
  more = texts;
  CHECK(more[0] == "keel");
  CHECK(more[0].data() == memory);
  MaybeText text;
  text = std::string_view("a name that is longer than any short string");
  text = MaybeText();
  CHECK_FALSE(MaybeText(text).has_value());
}
