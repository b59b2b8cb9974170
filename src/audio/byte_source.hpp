// The bytes of one ordinary file, or of a piece of memory: the only thing that the sound libraries get to
// see.
#pragma once

#include <cstddef>
#include <cstdint>
#include <memory>
#include <span>
#include <string>

namespace cranknote {

class ByteSource {
  public:
    /// Opens an ordinary file for reading. Throws Error for what is missing, unreadable, a folder, a pipe,
    /// a device or empty. Never waits (a pipe without a writer would).
    [[nodiscard]] static std::unique_ptr<ByteSource> of_file(const std::string& path);
    /// The bytes must outlive the source. Throws Error when there are none.
    [[nodiscard]] static std::unique_ptr<ByteSource> of_memory(std::span<const std::byte> bytes,
                                                               const std::string& name);
    ~ByteSource();
    ByteSource(const ByteSource&) = delete;
    ByteSource& operator=(const ByteSource&) = delete;

    [[nodiscard]] const std::string& name() const { return name_; }
    [[nodiscard]] std::int64_t size() const { return size_; }
    [[nodiscard]] std::int64_t position() const { return position_; }
    /// Goes to `position`, 0 to any place; after the end there is nothing to read. False below 0.
    bool seek(std::int64_t position);
    /// Reads up to `count` bytes at the position and moves on; fewer only at the end or after trouble.
    std::size_t read(void* into, std::size_t count);
    /// Reads at a place without moving.
    std::size_t read_at(std::int64_t position, void* into, std::size_t count);
    /// The system's word for the last failed reading (a bad card, a pulled stick); empty: none failed.
    [[nodiscard]] const std::string& trouble() const { return trouble_; }
    /// True when more readings were asked for than any sane file needs: a library runs in a circle.
    [[nodiscard]] bool overworked() const;

  private:
    ByteSource(int fd, std::span<const std::byte> memory, std::int64_t size, std::string name);
    int fd_;
    std::span<const std::byte> memory_;
    std::int64_t size_;
    std::int64_t position_ = 0;
    std::int64_t calls_ = 0;
    std::string name_;
    std::string trouble_;
};

}  // namespace cranknote
