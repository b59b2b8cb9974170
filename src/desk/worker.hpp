// Work off the frame: one thing after another on a thread of its own, with progress, and stopped at a wish.
#pragma once

#include <condition_variable>
#include <deque>
#include <functional>
#include <mutex>
#include <stop_token>
#include <string>
#include <thread>
#include <vector>

#include "desk/scene.hpp"

namespace cranknote::desk {

class Worker {
  public:
    /// What a task hands back: run on the frame's thread by collect().
    using Apply = std::function<void()>;
    /// Called with the share done; also wakes the window now and then.
    using Report = std::function<void(double)>;
    using Task = std::function<Apply(std::stop_token, const Report&)>;

    /// `wake` is called from the worker's thread whenever there is something new to see.
    explicit Worker(std::function<void()> wake);
    ~Worker();
    Worker(const Worker&) = delete;
    Worker& operator=(const Worker&) = delete;

    /// Queues a task. `what` is what the window says meanwhile.
    void start(std::string what, Task task);
    /// Stops the task that runs and forgets those that wait.
    void stop();
    /// Running until what finished tasks handed back has run as well: a task that only starts the next one
    /// leaves no gap between the two.
    [[nodiscard]] Busy busy() const;
    /// Runs what finished tasks handed back. True if there was something.
    bool collect();

  private:
    struct Waiting {
        std::string what;
        Task task;
    };
    void run(std::stop_token end);
    void finish(Apply apply);
    void note_rest();  ///< with mutex_ held

    std::function<void()> wake_;
    mutable std::mutex mutex_;
    std::condition_variable_any there_;
    std::deque<Waiting> waiting_;
    std::vector<Apply> done_;
    Busy busy_;
    bool at_work_ = false;     ///< a task runs
    bool collecting_ = false;  ///< what tasks handed back is being run
    std::stop_source current_;
    std::jthread thread_;
};

}  // namespace cranknote::desk
