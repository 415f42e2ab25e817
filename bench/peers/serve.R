# One line in, "work file count"; one line out, wall ms, processor ms and the answer. Packages load when first used.
options(digits = 17)
numbers <- function(file) scan(file, quiet = TRUE)
works <- list(
  csv = function(file, count) {
    data.table::setDTthreads(1)
    d <- data.table::fread(file, showProgress = FALSE)
    c(nrow(d), sum(d[[2]]))
  },
  `tolerance-one` = function(file, count) {
    factor <- function(n) qt(0.95, n - 1, qnorm(0.95) * sqrt(n)) / sqrt(n)
    for (i in seq_len(count)) factor(10 + i %% 20)
    factor(10)
  },
  weibull = function(file, count) {
    d <- matrix(numbers(file), ncol = 2, byrow = TRUE)
    s <- survival::Surv(d[, 1], d[, 2])
    for (i in seq_len(count)) f <- survival::survreg(s ~ 1, dist = "weibull")
    c(1 / f$scale, exp(unname(coef(f))))
  },
  bootstrap = function(file, count) {
    x <- numbers(file)
    set.seed(1)
    b <- boot::boot(x, function(v, i) mean(v[i]), R = 10000)
    boot::boot.ci(b, type = "bca")$bca[4:5]
  },
  permutation = function(file, count) {
    x <- numbers(file)
    g <- factor(rep(1:2, each = length(x) / 2))
    for (i in seq_len(count)) p <- coin::pvalue(coin::oneway_test(x ~ g, distribution = "exact"))
    p
  },
  mixed = function(file, count) {
    d <- as.data.frame(matrix(numbers(file), ncol = 3, byrow = TRUE))
    for (i in seq_len(count)) m <- lme4::lmer(V1 ~ V2 + (1 | V3), data = d, REML = TRUE)
    c(unname(lme4::fixef(m)[2]), sqrt(unlist(lme4::VarCorr(m))), sigma(m))
  }
)
input <- file("stdin", "r")
while (length(line <- readLines(input, n = 1)) == 1) {
  asked <- strsplit(line, " ")[[1]]
  from <- proc.time()
  wall <- Sys.time()
  answer <- suppressWarnings(works[[asked[1]]](asked[2], as.integer(asked[3])))
  ms <- as.numeric(Sys.time() - wall, units = "secs") * 1000
  took <- (proc.time() - from) * 1000
  cat(ms, took[[1]] + took[[2]], format(answer, digits = 17), "\n")
  flush(stdout())
}
