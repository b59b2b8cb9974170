// Who has a job open for changes: an advisory lock that ends with its process, however it ends.
#pragma once

#include <filesystem>
#include <string>
#include <utility>

namespace cranknote::job {

class Lock {
  public:
    Lock() = default;
    Lock(Lock&& other) noexcept : fd_(std::exchange(other.fd_, -1)) {}
    Lock& operator=(Lock&& other) noexcept {
        std::swap(fd_, other.fd_);
        return *this;
    }
    ~Lock();

    /// What became of taking a lock.
    enum class Outcome {
        taken,
        held,           ///< by another program: `holder` says which
        not_writable,   ///< rights or disk: `holder` says why
        not_supported,  ///< this disk knows no locks
    };
    struct Result;

    /// Tries for `wait_s` seconds. `program` is what others are told has it.
    [[nodiscard]] static Result take(const std::filesystem::path& file, const std::string& program,
                                     double wait_s);

  private:
    explicit Lock(int fd) : fd_(fd) {}
    int fd_ = -1;
};

struct Lock::Result {
    Outcome outcome;
    std::string holder;
    Lock lock;
};

}  // namespace cranknote::job
