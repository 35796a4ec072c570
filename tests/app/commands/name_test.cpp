// tests/app/commands/name_test.cpp
#include "tests/app/commands/command_run.h"
#include <doctest/doctest.h>

using namespace strumwright::test;
using strumwright::commands::Exit;

TEST_CASE("name prints the document of its contract") {
  struct Row {
    std::vector<std::string> notes;
    const char* document;
  };
  const Row rows[] = {
      {{"60", "64", "67", "69"},
       R"({"notes":[60,64,67,69],"name":"C6","root":"C","quality":"maj6","bass":null,"others":["Am7/C"],"foreign":[]})"},
      {{"E4", "C5", "G4"},
       R"({"notes":[64,72,67],"name":"C/E","root":"C","quality":"maj","bass":"E","others":[],"foreign":[]})"},
      {{"60", "61"},
       R"({"notes":[60,61],"name":null,"root":null,"quality":null,"bass":null,"others":[],"foreign":[]})"},
      {{"48", "60", "52", "64", "55", "67", "61"},
       R"({"notes":[48,60,52,64,55,67,61],"name":"C","root":"C","quality":"maj","bass":null,"others":[],"foreign":[61]})"},
  };
  for (const auto& row : rows) {
    auto arguments = row.notes;
    arguments.insert(arguments.begin(), "name");
    arguments.push_back("--json");
    const auto ran = run(arguments);
    CHECK(ran.exit == Exit::fine);
    CHECK(ran.out == std::string(row.document) + "\n");
  }
}

TEST_CASE("an answer that cannot be written is a failure of the output") {
  std::istringstream input;
  std::ostream full(nullptr);
  for (const std::vector<std::string>& arguments :
       {std::vector<std::string>{"name", "60", "64", "67"},
        {"explain"},
        {"--help"},
        {"--version"}}) {
    std::ostringstream err;
    strumwright::commands::Streams streams{input, full, err};
    CHECK(strumwright::run_command_line(arguments, strumwright::commands::table(),
                                        strumwright::commands::window(), streams) == Exit::output);
    CHECK(err.str().find("could not be written") != std::string::npos);
  }
}

TEST_CASE("name - takes a set a line and says nothing at all when a line is wrong") {
  CHECK(run({"name", "-"}, "60 64 67\n\n57 60 64\n").out == "C  major\nAm  minor\n");
  const auto wrong = run({"name", "-", "--json"}, "60 64 67\n60 H4\n");
  CHECK(wrong.exit == Exit::usage);
  CHECK(wrong.out.empty());
  CHECK(wrong.err.find("stdin, line 2") != std::string::npos);
}

TEST_CASE("what is no note is refused with the word") {
  for (const char* word : {"H4", "128", "-1", "C#-9", "", "60.5"}) {
    CAPTURE(word);
    const auto ran = run({"name", "60", word, "--json"});
    CHECK(ran.exit == Exit::usage);
    CHECK(ran.out.empty());
    CHECK_FALSE(ran.err.empty());
  }
}
