// The FFmpeg libraries' objects behind owners that free them in the right way.
#pragma once

extern "C" {
#include <libavcodec/avcodec.h>
#include <libavformat/avformat.h>
#include <libavutil/log.h>
#include <libavutil/mem.h>
#include <libavutil/parseutils.h>
}

#include <memory>

namespace cranknote::ffmpeg {

struct FreeFormat {
    void operator()(AVFormatContext* p) const { avformat_close_input(&p); }
};
struct FreeCodec {
    void operator()(AVCodecContext* p) const { avcodec_free_context(&p); }
};
struct FreePacket {
    void operator()(AVPacket* p) const { av_packet_free(&p); }
};
struct FreeFrame {
    void operator()(AVFrame* p) const { av_frame_free(&p); }
};
/// The library may have swapped the buffer for another: the context's own is freed.
struct FreeIo {
    void operator()(AVIOContext* p) const {
        if (p != nullptr) av_freep(&p->buffer);
        avio_context_free(&p);
    }
};

using Format = std::unique_ptr<AVFormatContext, FreeFormat>;
using Codec = std::unique_ptr<AVCodecContext, FreeCodec>;
using Packet = std::unique_ptr<AVPacket, FreePacket>;
using Frame = std::unique_ptr<AVFrame, FreeFrame>;
using Io = std::unique_ptr<AVIOContext, FreeIo>;

}  // namespace cranknote::ffmpeg
