// A film of this device in a video element: opened, played, stepped by frame. It is an address that
// the browser makes for the file (URL.createObjectURL); nothing is sent.
//
// A frame's own time comes from requestVideoFrameCallback where the browser has it, and so does the
// length of a frame while the film plays; else the frame rate in its field counts.

const MOST_RATE = 1000;

export class FilmPlayer extends EventTarget {
  #address = null;
  #frame = null; // seconds: the time of the frame that is shown
  #last = null;
  #shortest = Infinity;
  #typed = false;

  constructor(video, rate) {
    super();
    this.video = video;
    this.rate = rate;
    rate.addEventListener("input", () => {
      this.#typed = true;
    });
    this.exact = "requestVideoFrameCallback" in HTMLVideoElement.prototype;
    for (const name of ["play", "pause", "seeked", "timeupdate", "ended"]) {
      video.addEventListener(name, () => this.#changed());
    }
    video.addEventListener("loadedmetadata", () => {
      // Sound without a picture: the browser knows the box and not the film in it.
      if (video.videoWidth === 0) this.#fail();
      else this.dispatchEvent(new Event("ready"));
    });
    video.addEventListener("error", () => this.#fail());
    if (this.exact) this.#listen();
  }

  open(file) {
    this.close();
    this.#shortest = Infinity;
    this.#address = URL.createObjectURL(file);
    this.video.src = this.#address;
  }

  close() {
    if (this.#address === null) return;
    this.video.removeAttribute("src");
    this.video.load();
    URL.revokeObjectURL(this.#address);
    this.#address = null;
    this.#frame = null;
  }

  get isOpen() {
    return this.#address !== null && this.video.videoWidth > 0;
  }

  /** Whole milliseconds of the frame that is shown; after a jump, of the one still shown. */
  get now() {
    return Math.round((this.#frame ?? this.video.currentTime) * 1000);
  }

  get length() {
    return Math.round((this.video.duration || 0) * 1000);
  }

  get frameLength() {
    const typed = Number(this.rate.value.replace(",", "."));
    return 1 / (typed > 0 && typed <= MOST_RATE ? typed : 30);
  }

  playOrPause() {
    if (this.video.paused) this.video.play().catch(() => this.#changed());
    else this.video.pause();
  }

  /** To the middle of the next frame or the one before, so that no rounding lands on another. */
  step(direction) {
    this.video.pause();
    const from = this.#frame ?? this.video.currentTime;
    const by = this.exact ? direction + 0.5 : direction;
    this.video.currentTime = Math.max(0, from + by * this.frameLength);
  }

  /** To the frame of this time, which was rounded: a millisecond later it is that frame still. */
  seek(milliseconds) {
    this.video.currentTime = (milliseconds + 1) / 1000;
  }

  #listen() {
    this.video.requestVideoFrameCallback((_, frame) => {
      this.#measure(frame);
      this.#frame = frame.mediaTime;
      this.#changed();
      this.#listen();
    });
  }

  /** The shortest time between two frames is a frame's length; longer ones left some out. */
  #measure({ mediaTime, presentedFrames }) {
    const last = this.#last;
    const steady = !this.video.paused && !this.video.seeking;
    this.#last = steady ? { mediaTime, presentedFrames } : null;
    if (!last || this.#last === null || presentedFrames !== last.presentedFrames + 1) return;
    const lasts = mediaTime - last.mediaTime;
    if (this.#typed || lasts < 1 / MOST_RATE || lasts > this.#shortest * 0.99) return;
    this.#shortest = lasts;
    this.rate.value = String(Math.round(100 / lasts) / 100);
  }

  #changed() {
    this.dispatchEvent(new Event("change"));
  }

  #fail() {
    if (this.#address === null) return;
    this.close();
    this.dispatchEvent(new Event("unplayable"));
  }
}
