// The names in a pack: which are a job's, and which are the same to some machine.
#pragma once

#include <set>
#include <string>
#include <string_view>

namespace cranknote::job {

/// The same text for names that some file system takes for one: capitals and composed letters put aside.
[[nodiscard]] std::string folded_name(const std::string& name);

/// Valid UTF-8 without control characters and backslashes, no step longer than 255 bytes, none that leads
/// out.
[[nodiscard]] bool is_safe_name(const std::string& name);

/// Names that were seen. A name may not be there twice, nor be a file here and a folder there.
class SeenNames {
  public:
    /// False where it may not be.
    [[nodiscard]] bool add_file(const std::string& name);
    [[nodiscard]] bool add_folder(const std::string& name);

  private:
    std::set<std::string, std::less<>> files_, folders_;
    bool add_folders_above(const std::string& folded);
};

}  // namespace cranknote::job
