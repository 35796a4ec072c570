// app/commands/left_sessions.cpp
#include "app/commands/left_sessions.h"

#include "app/engine/spool_folder.h"

namespace strumwright::commands {

std::vector<engine::Notice> save_left_sessions(const std::filesystem::path& data_directory) {
  std::vector<engine::Notice> notices;
  for (const auto& spool : engine::find_left_spools(data_directory)) {
    const auto saved = engine::recover_spool(data_directory, spool.folder);
    if (!saved) {
      notices.push_back(engine::notice_of(saved.error()));
      continue;
    }
    std::string text = "The session of ";
    text.append(spool.started).append(" was cut off; its last minutes are kept in ");
    text.append(saved->file.filename().string());
    for (const auto& remark : saved->remarks) text.append(". ").append(remark);
    notices.push_back({false, std::move(text), saved->file});
  }
  return notices;
}

}  // namespace strumwright::commands
