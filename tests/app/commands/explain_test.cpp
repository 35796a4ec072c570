// tests/app/commands/explain_test.cpp
#include "tests/app/commands/command_run.h"
#include <doctest/doctest.h>

#include "core/diagnosis/rule.h"
#include "core/diagnosis/symptoms.h"

using namespace strumwright::test;
namespace diagnosis = strumwright::diagnosis;
using strumwright::commands::Exit;

TEST_CASE("explain lists every rule of the catalogue, and each in full") {
  const auto list = run({"explain"});
  CHECK(list.exit == Exit::fine);
  for (const auto& rule : diagnosis::catalogue()) {
    CAPTURE(rule.name);
    CHECK((list.out.find(std::string("\n") + rule.name + ' ') != std::string::npos ||
           list.out.starts_with(std::string(rule.name) + ' ')));
    const auto one = run({"explain", rule.name});
    CHECK(one.exit == Exit::fine);
    CHECK(one.out.find(rule.meaning) != std::string::npos);
    CHECK(one.out.find(rule.next) != std::string::npos);
    for (const char* cause : rule.causes) CHECK(one.out.find(cause) != std::string::npos);
  }
}

TEST_CASE("explain leads from every complaint to rules or to why it cannot be seen") {
  const auto list = run({"explain", "--symptoms"});
  CHECK(list.exit == Exit::fine);
  for (const auto& symptom : diagnosis::symptoms()) {
    CHECK(list.out.find(std::string(symptom.complaint) + "\n  ") != std::string::npos);
  }
}

TEST_CASE("explain refuses a rule that is not there, without its control characters") {
  const auto ran = run({"explain", "note.\x1b[31mred"});
  CHECK(ran.exit == Exit::usage);
  CHECK(ran.err.find('\x1b') == std::string::npos);
  CHECK(ran.err.find("lists them") != std::string::npos);
}
