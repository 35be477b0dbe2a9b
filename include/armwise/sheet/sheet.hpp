// The build sheet: one page that can be pinned over the bench or go out with the craft.
//
// Pure: the same record always makes the same page, byte for byte. A floor of its own, between the record and
// the flows: it draws and sets type, which the record's files should not know about, and needs neither a
// console nor a person.
#pragma once

#include <string>

#include "armwise/record/craft_record.hpp"

namespace armwise::sheet {

// The file that the record was read from, for whoever wants to check the page against it.
struct RecordFile {
  std::string name;      // without its folder
  std::string checksum;  // SHA-256, as sha256sum prints it
};

// Self-contained HTML: nothing is loaded from elsewhere and nothing runs. Prints to one A4 page; lists too
// long for it are cut short and say so. Any text in the record is safe in it.
std::string sheet(const record::CraftRecord& record, const RecordFile& file);

}  // namespace armwise::sheet
