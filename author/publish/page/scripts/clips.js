// Clips: once the hazards are read they loop without sound, at half speed if wanted, and can
// be gone through picture by picture.

const CALM = matchMedia("(prefers-reduced-motion: reduce)");

// The middle of a picture is that picture for certain; its edges may show the one beside it.
function middleOf({ frames, duration }, index) {
  return (frames[index] + (index + 1 < frames.length ? frames[index + 1] : duration)) / 2;
}

function pictureAt({ video, media }) {
  if (video.wanted !== undefined) return video.wanted;
  const after = media.frames.findIndex((start) => start > video.currentTime + 1e-4);
  return after < 0 ? media.frames.length - 1 : Math.max(0, after - 1);
}

function stepPicture(clip, by) {
  const { video, media } = clip;
  if (!video.seekable.length || !video.seekable.end(0)) {
    takeWhole(clip, by);
    return;
  }
  video.pause();
  video.wanted = (pictureAt(clip) + by + media.frames.length) % media.frames.length;
  if (!video.seeking) seek(clip);
  showPlace(clip);
}

// A server that sends no parts of files lets nobody pick a place in them: the clip is then
// held whole, and its pictures gone through there.
function takeWhole(clip, by) {
  const { figure, video } = clip;
  if (video.held) return;
  video.held = true;
  const at = pictureAt(clip);
  const go = () => {
    video.wanted = at;
    stepPicture(clip, by);
  };
  fetch(video.currentSrc).then((answer) => answer.blob()).then((file) => {
    video.addEventListener("loadeddata", go, { once: true });
    video.src = URL.createObjectURL(file);
  }).catch(() => (get(".whole", figure).hidden = false));
}

function seek({ video, media }) {
  video.asked = video.wanted;
  // A player may take a clip to end a little before its last picture does.
  video.currentTime = Math.min(middleOf(media, video.wanted), (media.frames[video.wanted] + video.duration) / 2);
}

function showPlace(clip) {
  const { figure, video, media } = clip;
  const index = pictureAt(clip);
  const time = video.wanted === undefined ? video.currentTime : middleOf(media, index);
  const cue = media.cues.find(([start, end]) => time >= start && time < end);
  fill(get(".at-picture", figure), `Picture ${index + 1} of ${media.frames.length}. `);
  fill(get(".caption", figure), cue ? cue[2] : "");
}

const FILM = {
  play: ({ video }) => (video.paused ? play(video) : video.pause()),
  back: (clip) => stepPicture(clip, -1),
  on: (clip) => stepPicture(clip, 1),
  slow: ({ video }) => {
    video.defaultPlaybackRate = video.playbackRate === 1 ? 0.5 : 1;
    video.playbackRate = video.defaultPlaybackRate;
    return video.playbackRate !== 1;
  },
  captions: ({ figure }) => !(get(".caption", figure).hidden = !get(".caption", figure).hidden),
  sound: ({ video }) => !(video.muted = !video.muted),
};

function setUpClip(figure) {
  const [video, media] = [get("video", figure), MEDIA[figure.dataset.film]];
  const clip = { figure, video, media };
  video.controls = false;
  get(".caption", figure).hidden = !media.cues.length;
  for (const press of all("[data-do]", figure)) {
    listen(press, { click: () => {
      const on = FILM[press.dataset.do](clip);
      if (press.hasAttribute("aria-pressed")) press.setAttribute("aria-pressed", on);
    } });
  }
  const turned = () => fill(get(".play", figure), icon(video.paused ? "play" : "pause"),
    make("span", {}, video.paused ? "Play" : "Pause"));
  listen(video, {
    play: turned,
    pause: turned,
    timeupdate: () => showPlace(clip),
    // Pressed again while the place was still being looked for.
    seeked: () => {
      if (video.wanted !== undefined && video.asked !== video.wanted) seek(clip);
    },
    error: () => (get(".broken", figure).hidden = false),
    loadeddata: () => (get(".broken", figure).hidden = true),
  });
}

// A still that is not there is told, so that no words send to it.
function setUpStill(image) {
  const lost = (on) => {
    get(".lost", image.closest(".still")).hidden = !on;
    mark(image.closest(".pictures"), "no-still", on);
  };
  listen(image, { error: () => lost(true), load: () => lost(false) });
}

// All of a job are there from its begin, since the network may go at any step.
function fetchStills() {
  for (const image of all("img[loading]")) image.removeAttribute("loading");
}

// From disk no network is wanted. What failed without it is fetched again with it.
function paintNetwork() {
  const gone = !navigator.onLine && location.protocol !== "file:";
  byId("offline").hidden = !gone;
  if (gone) return;
  for (const image of all(".no-still img")) image.src = image.getAttribute("src");
  for (const video of all("video")) if (video.error) video.load();
}

function play(video) {
  video.wanted = undefined;
  // A device that saves power may refuse; then the button stands at Play.
  video.play().catch(() => {});
}

// Lets the clip of a screen run once its hazards are read.
function gateClip(screen, free) {
  const figure = get(".film", screen);
  if (!figure || screen !== shown) return;
  const video = get("video", figure);
  if (video.dataset.poster) video.poster = video.dataset.poster;
  get(".cover", figure).hidden = free;
  for (const press of all(".controls button", figure)) press.disabled = !free;
  if (free && !figure.classList.contains("free") && !CALM.matches) play(video);
  if (!free) video.pause();
  mark(figure, "free", free);
}

function restClips(screen) {
  for (const figure of all(".film.free")) {
    if (screen.contains(figure)) continue;
    get("video", figure).pause();
    figure.classList.remove("free");
  }
}
