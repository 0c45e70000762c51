# The grades as they stand, in a crossed mixed model (lme4), many clubs in one file.
# usage: Rscript pool_lmer.R IN.csv OUT.csv [full]      IN columns: club, stone, rater, steel, y
# "full" adds the stone-by-steel effect. OUT: mean over the steels per stone, its sd, and the sd with the fixed part.
suppressMessages({
  library(lme4)
  library(data.table)
})
args <- commandArgs(TRUE)
trials <- fread(args[1])
full <- length(args) > 2 && args[3] == "full"
terms <- if (full) y ~ steel + (1 | stone) + (1 | stone:steel) + (1 | rater) else y ~ steel + (1 | stone) + (1 | rater)

one_club <- function(x, id) {
  x[, `:=`(stone = factor(stone), rater = factor(rater), steel = factor(steel))]
  model <- suppressWarnings(suppressMessages(lmer(terms, data = x, control = lmerControl(calc.derivs = FALSE))))
  effects <- ranef(model, condVar = TRUE)
  n_steels <- nlevels(x$steel)
  average <- c(1, rep(1 / n_steels, n_steels - 1))
  level <- sum(average * fixef(model))
  level_var <- as.numeric(t(average) %*% as.matrix(vcov(model)) %*% average)
  stone <- effects$stone[, 1]
  var <- as.numeric(attr(effects$stone, "postVar"))
  if (full) {
    cell <- effects$`stone:steel`
    owner <- sub(":.*", "", rownames(cell))
    stone <- stone + as.numeric((tapply(cell[, 1], owner, sum) / n_steels)[rownames(effects$stone)])
  }
  data.table(club = id, stone = as.integer(rownames(effects$stone)), est = level + stone,
             sd = sqrt(var), sd2 = sqrt(var + level_var))
}

seconds <- function() sum(proc.time()[1:2])
began <- seconds()
out <- lapply(unique(trials$club), function(id) one_club(trials[club == id], id))
spent <- seconds() - began
fwrite(rbindlist(out), args[2])
cat("seconds", spent, "\n")
