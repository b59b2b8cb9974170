#include "desk/worker.hpp"

#include <utility>

namespace cranknote::desk {

Worker::Worker(std::function<void()> wake)
    : wake_(std::move(wake)), thread_([this](std::stop_token end) { run(std::move(end)); }) {}

Worker::~Worker() {
    stop();
    thread_.request_stop();
    there_.notify_all();
}

void Worker::start(std::string what, Task task) {
    const std::scoped_lock lock(mutex_);
    waiting_.push_back({std::move(what), std::move(task)});
    busy_.running = true;
    there_.notify_all();
}

void Worker::stop() {
    const std::scoped_lock lock(mutex_);
    waiting_.clear();
    current_.request_stop();
    note_rest();
}

void Worker::note_rest() { busy_.running = at_work_ || collecting_ || !waiting_.empty() || !done_.empty(); }

Busy Worker::busy() const {
    const std::scoped_lock lock(mutex_);
    return busy_;
}

bool Worker::collect() {
    std::vector<Apply> done;
    {
        const std::scoped_lock lock(mutex_);
        done.swap(done_);
        collecting_ = !done.empty();
    }
    for (auto& apply : done)
        if (apply) apply();
    const std::scoped_lock lock(mutex_);
    collecting_ = false;
    note_rest();
    return !done.empty();
}

void Worker::finish(Apply apply) {
    {
        const std::scoped_lock lock(mutex_);
        done_.push_back(std::move(apply));
        at_work_ = false;
        busy_.share = 0.0;
        note_rest();
    }
    wake_();
}

void Worker::run(std::stop_token end) {
    while (!end.stop_requested()) {
        Waiting next;
        std::stop_token stop;
        {
            std::unique_lock lock(mutex_);
            if (!there_.wait(lock, end, [this] { return !waiting_.empty(); })) return;
            next = std::move(waiting_.front());
            waiting_.pop_front();
            current_ = std::stop_source();
            stop = current_.get_token();
            at_work_ = true;
            busy_ = {true, next.what, 0.0};
        }
        wake_();
        const Report report = [this](double share) {
            {
                const std::scoped_lock lock(mutex_);
                busy_.share = share;
            }
            wake_();
        };
        finish(next.task(stop, report));
    }
}

}  // namespace cranknote::desk
