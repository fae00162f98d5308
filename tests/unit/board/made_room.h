// The room of a job that must have one.
#pragma once
#include <catch2/catch.hpp>

#include "room/room.h"
#include "unit/room/rooms.h"

namespace rakelight {

inline Room room_of(const Job& job) {
  Diagnostics diagnostics;
  std::optional<Room> room = make_room(job, diagnostics);
  INFO(diagnostics.to_text("test", std::string(100000, ' ')));
  REQUIRE(room);
  return *room;
}

}  // namespace rakelight
