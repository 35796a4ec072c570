// tests/app/io/port_list_test.cpp
#include "app/io/port_list.h"

#include <algorithm>
#include <cstdlib>

#include <doctest/doctest.h>

#include "app/io/output.h"
#include "app/io/source.h"

using namespace strumwright::io;

TEST_CASE("without a JACK server all is a list and sentences, never a crash") {
  // A server of this name does not run.
  REQUIRE(::setenv("JACK_DEFAULT_SERVER", "strumwright-test-none", 1) == 0);
  const auto list = list_ports();
  const auto is_jack = [](const MidiPort& port) { return port.api == "JACK"; };
  CHECK(std::none_of(list.midi_in.begin(), list.midi_in.end(), is_jack));
  CHECK(std::none_of(list.midi_out.begin(), list.midi_out.end(), is_jack));
  const auto missing =
      std::find_if(list.missing.begin(), list.missing.end(),
                   [](const auto& service) { return service.service == "JACK server"; });
  REQUIRE(missing != list.missing.end());
  CHECK(missing->start.find("start jackd") == 0);

  const auto source = open_port("no-such-port-anywhere");
  REQUIRE_FALSE(source);
  CHECK(source.error().what.find("no port fits 'no-such-port-anywhere'") == 0);
  CHECK_FALSE(open_output("no-such-port-anywhere"));
}
