#include "job/lock.hpp"

#include <fcntl.h>
#include <pwd.h>
#include <sys/file.h>
#include <unistd.h>

#include <array>
#include <cerrno>
#include <chrono>
#include <optional>
#include <thread>

#include "job/disk.hpp"
#include "job/moment.hpp"

namespace cranknote::job {
namespace {

std::string user_name() {
    std::array<char, 4096> buffer{};
    passwd entry{};
    passwd* found = nullptr;
    if (::getpwuid_r(::geteuid(), &entry, buffer.data(), buffer.size(), &found) == 0 && found)
        return found->pw_name;
    return "user " + std::to_string(::geteuid());
}

std::string host_name() {
    std::array<char, 256> name{};
    if (::gethostname(name.data(), name.size() - 1) != 0 || name[0] == '\0') return "this machine";
    return name.data();
}

std::string who_am_i(const std::string& program) {
    return program + " (process " + std::to_string(::getpid()) + " of " + user_name() + " on " + host_name() +
           ", since " + to_local(now()) + ")";
}

std::string read_holder(int fd) {
    std::array<char, 512> text{};
    const ssize_t got = ::pread(fd, text.data(), text.size(), 0);
    std::string holder(text.data(), got > 0 ? static_cast<std::size_t>(got) : 0);
    if (const auto end = holder.find('\n'); end != holder.npos) holder.erase(end);
    return holder.empty() ? "another program" : holder;
}

/// Says in the file who holds it. Best effort: a full disk does not keep anyone from working.
void write_holder(int fd, const std::string& holder) {
    if (::ftruncate(fd, 0) != 0) return;
    const std::string line = holder + "\n";
    (void)!::pwrite(fd, line.data(), line.size(), 0);
}

/// 0, or the error number of the last try.
int flock_within(int fd, double wait_s) {
    const auto until = std::chrono::steady_clock::now() + std::chrono::duration<double>(wait_s);
    for (;;) {
        if (::flock(fd, LOCK_EX | LOCK_NB) == 0) return 0;
        if (errno != EWOULDBLOCK && errno != EINTR) return errno;
        if (std::chrono::steady_clock::now() >= until) return EWOULDBLOCK;
        std::this_thread::sleep_for(std::chrono::milliseconds(10));
    }
}

}  // namespace

Lock::~Lock() {
    if (fd_ < 0) return;
    (void)!::ftruncate(fd_, 0);
    ::close(fd_);
}

Lock::Result Lock::take(const std::filesystem::path& file, const std::string& program, double wait_s) {
    constexpr int flags = O_CLOEXEC | O_NOFOLLOW;
    int fd = ::open(file.c_str(), O_RDWR | O_CREAT | flags, 0666);
    const int why = errno;
    // Someone else's lock file in a shared folder can be locked without being written.
    if (fd < 0) fd = ::open(file.c_str(), O_RDONLY | flags);
    if (fd < 0) return {Outcome::not_writable, trouble_of(why), {}};
    Lock lock(fd);
    const int error_number = flock_within(fd, wait_s);
    if (error_number == EWOULDBLOCK) {
        const std::string holder = read_holder(fd);
        ::close(std::exchange(lock.fd_, -1));  // not by the destructor: the holder's name stays
        return {Outcome::held, holder, {}};
    }
    if (error_number != 0) {
        ::close(std::exchange(lock.fd_, -1));
        return {Outcome::not_supported, trouble_of(error_number), {}};
    }
    write_holder(fd, who_am_i(program));
    return {Outcome::taken, "", std::move(lock)};
}

}  // namespace cranknote::job
