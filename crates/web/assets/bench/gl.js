// Draws a mesh by WebGL: lit faces, lines, and a hidden picture in which each piece has its own number.

const FACES = `
attribute vec3 at; attribute vec3 normal; attribute vec3 tone; attribute float pick;
uniform mat4 view; uniform vec3 light; uniform float chosen; uniform float hidden;
varying vec3 colour;
void main() {
  gl_Position = view * vec4(at, 1.0);
  if (hidden > 0.5) {
    colour = vec3(mod(pick, 256.0), floor(pick / 256.0), 0.0) / 255.0;
  } else {
    float lit = 0.45 + 0.55 * abs(dot(normal, light));
    vec3 own = pick > 0.5 && abs(pick - chosen) < 0.5 ? vec3(0.25, 0.5, 0.95) : tone;
    colour = own * lit;
  }
}`;
const LINES = `
attribute vec3 at; uniform mat4 view;
void main() { gl_Position = view * vec4(at, 1.0); }`;
const SHADE = `precision mediump float; varying vec3 colour; void main() { gl_FragColor = vec4(colour, 1.0); }`;
const PLAIN = `precision mediump float; uniform vec3 colour; void main() { gl_FragColor = vec4(colour, 1.0); }`;
/** Numbers of a corner: place, normal, tone, pick. */
const STRIDE = 10;

function program(gl, corner, dot) {
  const made = gl.createProgram();
  for (const [kind, text] of [[gl.VERTEX_SHADER, corner], [gl.FRAGMENT_SHADER, dot]]) {
    const shader = gl.createShader(kind);
    gl.shaderSource(shader, text);
    gl.compileShader(shader);
    gl.attachShader(made, shader);
  }
  gl.linkProgram(made);
  if (!gl.getProgramParameter(made, gl.LINK_STATUS)) throw new Error(gl.getProgramInfoLog(made) ?? "no 3D here");
  return made;
}

export class Painter {
  /** Throws when this browser cannot draw in 3D. */
  constructor(canvas) {
    const gl = canvas.getContext("webgl", { antialias: true, preserveDrawingBuffer: true });
    if (!gl) throw new Error("no 3D here");
    this.gl = gl;
    this.canvas = canvas;
    this.faces = program(gl, FACES, SHADE);
    this.lines = program(gl, LINES, PLAIN);
    this.flat = gl.createBuffer();
    this.thin = gl.createBuffer();
    this.target = gl.createFramebuffer();
    this.picture = gl.createTexture();
    this.depth = gl.createRenderbuffer();
    gl.enable(gl.DEPTH_TEST);
  }

  take(mesh) {
    const { gl } = this;
    gl.bindBuffer(gl.ARRAY_BUFFER, this.flat);
    gl.bufferData(gl.ARRAY_BUFFER, new Float32Array(mesh.flat), gl.STATIC_DRAW);
    gl.bindBuffer(gl.ARRAY_BUFFER, this.thin);
    gl.bufferData(gl.ARRAY_BUFFER, new Float32Array(mesh.thin), gl.STATIC_DRAW);
    this.count = mesh.flat.length / STRIDE;
    this.edges = mesh.edges;
    this.all = mesh.thin.length / 3;
  }

  size() {
    const { canvas } = this;
    const dense = Math.min(2, window.devicePixelRatio || 1);
    const [w, h] = [canvas.clientWidth, canvas.clientHeight].map((v) => Math.max(1, Math.round(v * dense)));
    if (canvas.width !== w || canvas.height !== h) [canvas.width, canvas.height] = [w, h];
  }

  /** Draws by a view: its matrix, where the light comes from, the number chosen, the tones of ground and lines. */
  draw(view) {
    const { gl, canvas } = this;
    this.size();
    gl.bindFramebuffer(gl.FRAMEBUFFER, null);
    gl.viewport(0, 0, canvas.width, canvas.height);
    gl.clearColor(...view.ground, 1);
    gl.clear(gl.COLOR_BUFFER_BIT | gl.DEPTH_BUFFER_BIT);
    this.body(view, false);
    gl.useProgram(this.lines);
    gl.uniformMatrix4fv(gl.getUniformLocation(this.lines, "view"), false, view.matrix);
    const at = gl.getAttribLocation(this.lines, "at");
    gl.bindBuffer(gl.ARRAY_BUFFER, this.thin);
    gl.enableVertexAttribArray(at);
    gl.vertexAttribPointer(at, 3, gl.FLOAT, false, 12, 0);
    const colour = gl.getUniformLocation(this.lines, "colour");
    gl.uniform3fv(colour, view.line);
    gl.drawArrays(gl.LINES, 0, this.edges);
    gl.uniform3fv(colour, view.element);
    gl.drawArrays(gl.LINES, this.edges, this.all - this.edges);
  }

  body(view, hidden) {
    const { gl, faces } = this;
    gl.useProgram(faces);
    gl.uniformMatrix4fv(gl.getUniformLocation(faces, "view"), false, view.matrix);
    gl.uniform3fv(gl.getUniformLocation(faces, "light"), view.light);
    gl.uniform1f(gl.getUniformLocation(faces, "chosen"), view.chosen);
    gl.uniform1f(gl.getUniformLocation(faces, "hidden"), hidden ? 1 : 0);
    gl.bindBuffer(gl.ARRAY_BUFFER, this.flat);
    let from = 0;
    for (const [name, size] of [["at", 3], ["normal", 3], ["tone", 3], ["pick", 1]]) {
      const at = gl.getAttribLocation(faces, name);
      gl.enableVertexAttribArray(at);
      gl.vertexAttribPointer(at, size, gl.FLOAT, false, STRIDE * 4, from * 4);
      from += size;
    }
    gl.drawArrays(gl.TRIANGLES, 0, this.count);
    for (const name of ["normal", "tone", "pick"]) gl.disableVertexAttribArray(gl.getAttribLocation(faces, name));
  }

  /** The number of what is seen at a place of the canvas, CSS px; 0 for nothing. */
  pick(view, x, y) {
    const { gl, canvas } = this;
    this.size();
    const dense = canvas.width / canvas.clientWidth;
    gl.bindFramebuffer(gl.FRAMEBUFFER, this.target);
    gl.bindTexture(gl.TEXTURE_2D, this.picture);
    gl.texImage2D(gl.TEXTURE_2D, 0, gl.RGBA, canvas.width, canvas.height, 0, gl.RGBA, gl.UNSIGNED_BYTE, null);
    gl.texParameteri(gl.TEXTURE_2D, gl.TEXTURE_MIN_FILTER, gl.NEAREST);
    gl.texParameteri(gl.TEXTURE_2D, gl.TEXTURE_WRAP_S, gl.CLAMP_TO_EDGE);
    gl.texParameteri(gl.TEXTURE_2D, gl.TEXTURE_WRAP_T, gl.CLAMP_TO_EDGE);
    gl.framebufferTexture2D(gl.FRAMEBUFFER, gl.COLOR_ATTACHMENT0, gl.TEXTURE_2D, this.picture, 0);
    gl.bindRenderbuffer(gl.RENDERBUFFER, this.depth);
    gl.renderbufferStorage(gl.RENDERBUFFER, gl.DEPTH_COMPONENT16, canvas.width, canvas.height);
    gl.framebufferRenderbuffer(gl.FRAMEBUFFER, gl.DEPTH_ATTACHMENT, gl.RENDERBUFFER, this.depth);
    gl.viewport(0, 0, canvas.width, canvas.height);
    gl.clearColor(0, 0, 0, 1);
    gl.clear(gl.COLOR_BUFFER_BIT | gl.DEPTH_BUFFER_BIT);
    this.body(view, true);
    const found = new Uint8Array(4);
    gl.readPixels(Math.round(x * dense), canvas.height - 1 - Math.round(y * dense), 1, 1, gl.RGBA, gl.UNSIGNED_BYTE, found);
    gl.bindFramebuffer(gl.FRAMEBUFFER, null);
    return found[0] + 256 * found[1];
  }
}
